"""What is known about derived numbers: plates, stated deliveries and readings, and what they say of the draw."""
