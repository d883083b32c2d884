"""What somebody who means harm, or types nonsense, sends: refused in words, never an error."""
