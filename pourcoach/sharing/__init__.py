"""What one station shows to others, and how it gets there: nothing is shared unless asked."""
