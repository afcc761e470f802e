"""`python -m server` is the command `pomeward`."""

from server.cli.command import main

if __name__ == "__main__":
    main()
