"""When a reading was weighed, from when it arrived."""
