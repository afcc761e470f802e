"""One screen a module: layout and bindings. Never touches storage, network or device."""
