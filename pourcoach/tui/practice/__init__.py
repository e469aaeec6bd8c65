"""The screens of practice: a pour of a drill, what follows it, the drills, the progress."""
