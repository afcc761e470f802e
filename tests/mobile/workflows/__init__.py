"""What a person does at each moment, on a real store on a real file, with a clock that is set."""
