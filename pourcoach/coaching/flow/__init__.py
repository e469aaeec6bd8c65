"""How the water comes: the settled flow, the pace of the pour that runs, and its hindsight."""
