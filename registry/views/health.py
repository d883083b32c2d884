"""Whether the registry is ready to serve, for whoever watches the machine."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from registry.gathering.readiness import database_fault, storage_fault, worker_fault


@login_not_required
@never_cache
@require_safe
def healthz(request: HttpRequest) -> JsonResponse:
    """Answer 200 where database, storage and worker are well, else 503, naming what is not."""
    faults = {"database": database_fault(), "storage": storage_fault()}
    faults["worker"] = "not known" if faults["database"] else worker_fault(timezone.now())
    parts = {name: fault or "ok" for name, fault in faults.items()}
    return JsonResponse(parts, status=503 if any(faults.values()) else 200)
