"""Cards as they were looked at, and the script that writes them again."""
