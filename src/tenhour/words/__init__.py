"""What tenhour says: sentences with typed gaps, written in the reader's units and way of writing dates."""
