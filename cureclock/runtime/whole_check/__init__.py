"""The check behind `manage.py test`: its parts, what they need of the machine, and the count."""
