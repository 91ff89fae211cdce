"""The package: a folder that can be handed over, with its document, its log sheets and all that proves them."""
