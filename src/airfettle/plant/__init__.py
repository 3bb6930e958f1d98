"""What this owner has: one small model for each part, with no arithmetic."""
