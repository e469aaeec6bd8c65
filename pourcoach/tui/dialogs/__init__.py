"""Questions, lines of text, picks and help, each shown above another screen."""
