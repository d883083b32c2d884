"""What is due, when and why; the season; rounds of the crews and their check."""
