"""One command a file; what several of them print and how they end lies beside them."""
