"""`python -m sixwright` is the command `sixwright`."""

from sixwright.cli.main import main

if __name__ == "__main__":
    main()
