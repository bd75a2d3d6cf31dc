"""The demo shop, told by calling actions under a moving clock."""
