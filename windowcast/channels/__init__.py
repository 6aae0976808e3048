"""Ways out of the house for a letter: mail to a person, a post to a program."""
