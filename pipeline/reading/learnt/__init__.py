"""A second reading of notes, learnt from marked ones: what the words tell, and of which of the parts named."""
