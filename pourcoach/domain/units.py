"""Names for plain floats, so that a signature shows its unit."""

from typing import TypeAlias

Seconds: TypeAlias = float
Grams: TypeAlias = float
GramsPerSecond: TypeAlias = float
Celsius: TypeAlias = float
Hertz: TypeAlias = float
Percent: TypeAlias = float
