"""What is practised: drills as data, and one of them set as a task."""
