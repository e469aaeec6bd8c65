"""A person's name as it stands in texts and in names of files."""

import re


def name_pattern(name: str) -> re.Pattern[str]:
    """Finds it as whole words; large and small letters are one."""
    return re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)


def is_named_in(file_name: str, name: str) -> bool:
    """Whether a file is called after the person: hyphens, dots and underscores stand for blanks."""
    return name_pattern(name).search(re.sub(r"[-_.]+", " ", file_name)) is not None
