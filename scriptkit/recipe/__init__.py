"""The written dish and meal: the file's shape, a reader that keeps every place, and the ingredient ledger."""
