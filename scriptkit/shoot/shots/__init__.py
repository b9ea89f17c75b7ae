"""The shot list: how each step and addition is framed."""
