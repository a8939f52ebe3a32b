"""One screen a module, its widgets and plain bindings in the kv file beside it. Screens decide nothing."""
