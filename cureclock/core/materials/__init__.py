"""The library: glues, finishes, holds, woods and clamps, every number with its source."""
