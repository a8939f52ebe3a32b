"""One presenter a screen: takes touches and typed text, asks the core, returns a frozen view. No kivy."""
