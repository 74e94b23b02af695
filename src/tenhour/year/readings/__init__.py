"""What measurements and logs teach of a house; they ask a whole year and change none."""
