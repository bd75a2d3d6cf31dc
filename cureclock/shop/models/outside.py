"""The owner's password for coming in from outside the house, and who came in by it."""

from django.db import models

from cureclock.shop.models.people import Person, Phone
from cureclock.shop.models.workshops import Workshop


class OutsidePassword(models.Model):
    """The name and password by which an owner signs in from outside; kept as Argon2 makes it."""

    id = models.BigAutoField(primary_key=True)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="outside_passwords")
    person = models.ForeignKey(Person, models.CASCADE, related_name="outside_passwords")
    login = models.CharField(max_length=80, unique=True)
    password = models.CharField(max_length=200)
    set_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["workshop", "person"], name="one_password_each"),
        ]


class SignIn(models.Model):
    """Somebody tried to sign in by the name of an owner: when, from where, and whether they came in."""

    id = models.BigAutoField(primary_key=True)
    workshop = models.ForeignKey(Workshop, models.CASCADE, related_name="sign_ins")
    person = models.ForeignKey(Person, models.CASCADE, related_name="sign_ins")
    phone = models.ForeignKey(Phone, models.SET_NULL, null=True)
    at = models.DateTimeField()
    well = models.BooleanField()
    address = models.CharField(max_length=45, blank=True)

    class Meta:
        indexes = [models.Index(fields=["workshop", "at"], name="sign_ins_by_time")]


class SignInTries(models.Model):
    """How often a name or an address was tried since when; only the hash of either is kept."""

    key = models.CharField(max_length=64, primary_key=True)
    since = models.DateTimeField()
    count = models.PositiveIntegerField(default=0)
