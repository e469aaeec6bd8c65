"""The simulated hand: its habits, its movement and the stream it pours."""
