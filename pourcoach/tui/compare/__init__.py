"""Two to six brews side by side on a screen."""
