"""Published recipes, buffers and several components in one volume."""
