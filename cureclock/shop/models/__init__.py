"""Every noun of the shop and the log of what happened."""

from cureclock.shop.models.coats import Coat, CoatedZone
from cureclock.shop.models.events import Conflict, Event
from cureclock.shop.models.glueups import GlueUp, Joint
from cureclock.shop.models.materials import Container, LabelVersion, Material
from cureclock.shop.models.outside import OutsidePassword, SignIn, SignInTries
from cureclock.shop.models.people import Membership, PairingLink, Person, Phone
from cureclock.shop.models.photos import Photo
from cureclock.shop.models.pieces import Batch, Hold, MadeFrom, Piece, Zone
from cureclock.shop.models.places import AirVersion, OffsetVersion, Place, Sensor
from cureclock.shop.models.readings import Reading
from cureclock.shop.models.sensors import (
    BelievedVersion,
    BrokerVersion,
    LoggerFile,
    SensorFault,
    TopicVersion,
)
from cureclock.shop.models.stock import StockLot
from cureclock.shop.models.things import Thing, ThingVersion
from cureclock.shop.models.workshops import Workshop

__all__ = [
    "AirVersion",
    "Batch",
    "BelievedVersion",
    "BrokerVersion",
    "Coat",
    "CoatedZone",
    "Conflict",
    "Container",
    "Event",
    "GlueUp",
    "Hold",
    "Joint",
    "LabelVersion",
    "LoggerFile",
    "MadeFrom",
    "Material",
    "Membership",
    "OffsetVersion",
    "OutsidePassword",
    "PairingLink",
    "Person",
    "Phone",
    "Photo",
    "Piece",
    "Place",
    "Reading",
    "Sensor",
    "SensorFault",
    "SignIn",
    "SignInTries",
    "StockLot",
    "Thing",
    "ThingVersion",
    "TopicVersion",
    "Workshop",
    "Zone",
]
