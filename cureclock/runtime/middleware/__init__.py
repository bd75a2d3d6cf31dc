"""What every request passes through on its way in, and every answer on its way out."""
