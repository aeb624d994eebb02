"""How the sample weekend's sound and film are made; run by make_sound.py, never by the program itself."""
