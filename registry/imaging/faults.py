"""What is refused of photos and of what is drawn on them, in the words of who sent or drew it."""

from registry.faults import DomainError


class PhotoRefused(DomainError):
    """The file is not a still photo that this record can keep and show."""


class CameraTimeError(DomainError):
    """A camera time cannot be put right as asked."""


class CornersRefused(DomainError):
    """The four corners do not stand for a rectangle seen in the picture."""


class OutlineRefused(DomainError):
    """The outline or line drawn on a flattened picture has no one area or length."""


class MarksRefused(DomainError):
    """The marks drawn on a picture are not marks this record knows."""
