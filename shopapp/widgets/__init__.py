"""Things that are drawn and touched: keys, words, the strip, the line. They decide nothing."""
