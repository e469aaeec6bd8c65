"""The screens. The only part that knows Textual."""

import os

# Textual puts off what is drawn within 1/60 s of what was drawn before: STOP would wait for that.
# It reads this when it is first imported, and draws no more often for it.
os.environ.setdefault("TEXTUAL_FPS", "250")
