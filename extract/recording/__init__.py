"""Where in a recording its bouts are: the signs and names of each cue, and the model that cuts by them."""
