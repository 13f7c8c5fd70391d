"""The desk as a whole: facts entered, loaded, dumped, raced for."""
