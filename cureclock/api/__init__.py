"""The face to phones and sensors. Nothing else speaks the REST framework."""
