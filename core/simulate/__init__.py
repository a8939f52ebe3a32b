"""A simulated part that answers, for demo, rehearsal and benchmark."""
