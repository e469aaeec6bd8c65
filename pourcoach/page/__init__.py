"""The page: one small web page for phone and projector, made from the same tiles as the wall."""
