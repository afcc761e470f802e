"""What a person does, one module each. No Kivy inside."""
