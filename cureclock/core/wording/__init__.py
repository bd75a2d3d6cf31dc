"""Everything the tool says, by language: one catalogue of templates with named fields."""
