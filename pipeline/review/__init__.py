"""A page on this machine with which a person checks the record: hears, looks, corrects, accepts, rejects."""
