"""The reference page of the science, made from the docstrings, the library and the checks."""
