"""The scenes of the sample pictures: shapes, surfaces, the hangar, the aircraft and each shot."""
