"""What is proposed against each kind of finding, one file per kind of question."""
