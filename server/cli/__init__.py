"""The command `pomeward`, a module for each subject. Calls services, prints words."""
