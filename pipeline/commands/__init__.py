"""The commands, as they are typed, one module for what they are about."""
