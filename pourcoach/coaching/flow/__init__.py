"""The settled flow, the pace of the running pour, and what a finished stage's flow was like."""
