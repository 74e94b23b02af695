"""Results to text, tables, pictures and files; rounds and labels only."""
