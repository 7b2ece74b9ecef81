// Stands in for a module that has no source yet.
