"""The order plan against published examples and against trying everything."""
