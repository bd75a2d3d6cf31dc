"""Mail, through the server the settings name."""

import smtplib

from django.core.mail import EmailMessage, get_connection

from cureclock.reminders.channels.message import TIMEOUT_S, Address, Outgoing
from cureclock.reminders.clock import Clock
from cureclock.reminders.outcome import Accepted, Fault, Gone, Outcome, TryAgain

NO_SUCH_MAILBOX = (550, 551, 553)  # RFC 5321, 4.2.3


class Email:
    """One message, one mail; those of one tag fall into one thread."""

    kind = "email"

    def send(self, address: Address, message: Outgoing, clock: Clock) -> Outcome:  # noqa: ARG002
        """Hand it to the mail server."""
        mail = EmailMessage(
            subject=message.title,
            body=message.body,
            to=[address.address],
            headers={"Message-ID": f"<{message.delivery}.{message.alert}@cureclock>"},
            connection=get_connection(timeout=TIMEOUT_S),
        )
        try:
            mail.send()
        except smtplib.SMTPRecipientsRefused as refused:
            return of_mailbox(max((code for code, _ in refused.recipients.values()), default=0))
        except smtplib.SMTPResponseException as refused:
            return of_server(refused.smtp_code)
        except (OSError, smtplib.SMTPException) as failed:
            return TryAgain(None, type(failed).__name__)
        except ValueError:
            return Fault(None, "this cannot be an address")
        return Accepted(250)


def of_mailbox(status: int) -> Outcome:
    """What it means that a mailbox was not taken."""
    if status in NO_SUCH_MAILBOX:
        return Gone(status, "there is no such mailbox")
    return TryAgain(status, "the mailbox was not taken")


def of_server(status: int) -> Outcome:
    """What it means that the server answered with an error: 5xx is for good (RFC 5321, 4.2.1)."""
    if 500 <= status < 600:
        return Fault(status, "the mail server refused it")
    return TryAgain(status, "the mail server is busy")
