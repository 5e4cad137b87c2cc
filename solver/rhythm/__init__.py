"""Stage 1, when notes sound: cells, form, skeletons."""
