"""What wire, fuse, board, switch and charger, joined in which order? Never draws."""
