"""Rules on the assay of what is measured and on how exact it can be."""
