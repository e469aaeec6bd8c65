"""What a cable and a radio have in common: connections, and the supervisor over them."""
