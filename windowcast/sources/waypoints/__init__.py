"""Files of waypoints and spreadsheets, read as places for ``yards.csv``; bytes in, words out."""
