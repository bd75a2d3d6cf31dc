"""Tonight: how cold it gets, what that spoils, the latest to press, what closes before morning."""
