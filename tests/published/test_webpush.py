"""The worked example of RFC 8291, byte for byte, and the same read by another library."""

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec

from cureclock.reminders.channels.aes128gcm import CURVE, encrypt, from_text, point, to_text

# RFC 8291, appendix A
PLAIN = b"When I grow up, I want to be a watermelon"
AS_PRIVATE = "yfWPiYE-n46HLnH0KqZOF1fJJU3MYrct3AELtAQ-oRw"
AS_PUBLIC = (
    "BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8"
)
UA_PRIVATE = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
UA_PUBLIC = (
    "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4"
)
AUTH = "BTBZMqHH6r4Tts7J_aSIgg"
SALT = "DGv6ra1nlYgDCS1FRnbzlw"
BODY = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS"
    "6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qu"
    "lcy4a-fN"
)


def key(private: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(from_text(private), "big"), CURVE)


def test_the_keys_are_those_of_the_example() -> None:
    assert to_text(point(key(AS_PRIVATE).public_key())) == AS_PUBLIC
    assert to_text(point(key(UA_PRIVATE).public_key())) == UA_PUBLIC


def test_the_message_is_that_of_the_example_byte_for_byte() -> None:
    body = encrypt(PLAIN, UA_PUBLIC, AUTH, salt=from_text(SALT), key=key(AS_PRIVATE))
    assert to_text(body) == BODY


def test_another_library_reads_it() -> None:
    body = encrypt(PLAIN, UA_PUBLIC, AUTH)
    read = http_ece.decrypt(
        body, private_key=key(UA_PRIVATE), auth_secret=from_text(AUTH), version="aes128gcm"
    )
    assert read == PLAIN


def test_no_two_messages_share_a_salt_or_a_key() -> None:
    one, other = encrypt(PLAIN, UA_PUBLIC, AUTH), encrypt(PLAIN, UA_PUBLIC, AUTH)
    assert one[:16] != other[:16]
    assert one[21:86] != other[21:86]
