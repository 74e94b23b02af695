"""What to sow where and when so that a household's wishes are met week by week: a mixed-integer program."""
