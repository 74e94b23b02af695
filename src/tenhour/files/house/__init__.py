"""House files: TOML text to a checked house."""
