"""Who stands in which corner, and every place where the talk refers to one of the two."""
