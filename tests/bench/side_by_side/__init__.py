"""One reduced problem in this program and in others, side by side."""
