"""Two to six brews side by side, with a difference called one only where it can be seen."""
