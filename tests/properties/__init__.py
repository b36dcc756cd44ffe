"""What must hold for every deck: turned, reversed, renumbered, mirrored, in the other unit."""
