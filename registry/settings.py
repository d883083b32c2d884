"""Settings. Only REGISTRY_* variables of the environment change them; safe by default."""

import os
from pathlib import Path

import environ
from csp.constants import NONE, SELF

from registry.environment import (
    TASK_RUNNERS,
    read_choice,
    read_flag,
    refuse_unknown,
    secret_key,
    sqlite_options,
)

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = BASE_DIR / ".data"
DATA_DIR.mkdir(exist_ok=True)

env = environ.Env()
refuse_unknown(os.environ)

DEBUG = read_flag(env, "REGISTRY_DEBUG", default=False)
HTTPS = read_flag(env, "REGISTRY_HTTPS", default=not DEBUG)
SECRET_KEY = secret_key(env, DATA_DIR)
ALLOWED_HOSTS = env.list("REGISTRY_ALLOWED_HOSTS", default=["localhost", "127.0.0.1", "[::1]"])
PUBLIC_URL = env.str("REGISTRY_PUBLIC_URL", default="http://127.0.0.1:8000").rstrip("/")

INSTALLED_APPS = [
    "registry",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "axes",
    "csp",
    "django_filters",
    "django_tasks",
    "django_tasks_db",
    "rest_framework",
    "drf_spectacular",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "axes.middleware.AxesMiddleware",
    "registry.access.once.once_a_page",
    "registry.views.sent_form.FormsOnce",
]

ROOT_URLCONF = "registry.urls"
WSGI_APPLICATION = "registry.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "registry" / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASES = {
    "default": env.db_url(
        "REGISTRY_DATABASE_URL", default=f"sqlite:///{DATA_DIR / 'registry.sqlite3'}"
    )
}
if DATABASES["default"]["ENGINE"] == "django.db.backends.sqlite3":
    DATABASES["default"]["OPTIONS"] = sqlite_options()
else:
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
    DATABASES["default"]["CONN_MAX_AGE"] = 60

AUTH_USER_MODEL = "registry.Person"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "allauth.account.auth_backends.AuthenticationBackend",
]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]

ACCOUNT_USER_MODEL_USERNAME_FIELD = None
ACCOUNT_LOGIN_METHODS = {"email"}
ACCOUNT_SIGNUP_FIELDS = ["email*", "password1*", "password2*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_ADAPTER = "registry.sign_in.Adapter"
ACCOUNT_EMAIL_SUBJECT_PREFIX = ""
ACCOUNT_EMAIL_UNKNOWN_ACCOUNTS = False
ACCOUNT_EMAIL_NOTIFICATIONS = True
ACCOUNT_FORMS = {"login": "registry.forms.person.SignInForm"}
# Wrong passwords and codes are counted below, for all workers together; this stops one address
# from going through many names.
ACCOUNT_RATE_LIMITS = {"login_failed": "30/m/ip"}
ALLAUTH_TRUSTED_PROXY_COUNT = 1 if HTTPS else 0
MFA_FORMS = {
    "authenticate": "registry.forms.person.CodeForm",
    "reauthenticate": "registry.forms.person.CodeAgainForm",
}
MFA_ALLOW_UNVERIFIED_EMAIL = True  # addresses come from invitations, nobody signs up
MFA_ADAPTER = "registry.sign_in.SecondStepAdapter"
MFA_SUPPORTED_TYPES = ["totp", "recovery_codes"]
MFA_TOTP_ISSUER = "Pavement registry"
LOGIN_URL = "account_login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "account_login"

AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_USERNAME_FORM_FIELD = "login"
AXES_USERNAME_CALLABLE = "registry.sign_in.name_typed"
AXES_CLIENT_IP_CALLABLE = "registry.sign_in.address_of"
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_LOCKOUT_TEMPLATE = "account/locked.html"
AXES_RESET_ON_SUCCESS = True
AXES_VERBOSE = False

SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_HTTPONLY = True
SECURE_SSL_REDIRECT = HTTPS
SECURE_REDIRECT_EXEMPT = [r"^healthz$"]
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HTTPS else None
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}

LANGUAGE_CODE = "en"
TIME_ZONE = "UTC"
USE_TZ = True
USE_I18N = True

STATIC_URL = "/static/"
STATIC_ROOT = DATA_DIR / "static"
WHITENOISE_USE_FINDERS = True
MEDIA_ROOT = Path(env.str("REGISTRY_MEDIA_ROOT", default=str(DATA_DIR / "media")))
MEDIA_URL = "/originals-are-served-through-access-only/"
# Files come in through memory up to here, through the disk beyond. How large each may be, forms
# and actions say (a photo 60 MB, a spreadsheet 200 MB); the reverse proxy holds the whole request.
FILE_UPLOAD_HANDLERS = [
    "registry.forms.uploads.TakesNameless",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
FILE_UPLOAD_MAX_MEMORY_SIZE = 5 * 2**20
DATA_UPLOAD_MAX_NUMBER_FILES = 60
# A cover walk card has 160 fields a strip: fifteen strips of a day can be copied in together.
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2500
DATA_UPLOAD_MAX_MEMORY_SIZE = 20 * 2**20

TASKS_RUNNER = read_choice(env, "REGISTRY_TASKS", TASK_RUNNERS)
BROKER_URL = env.str("REGISTRY_BROKER_URL", default="")
STORAGE_URL = env.str("REGISTRY_STORAGE_URL", default="")
TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

if env.str("REGISTRY_MAIL_URL", default=""):
    vars().update(env.email_url("REGISTRY_MAIL_URL"))
else:
    EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    EMAIL_FILE_PATH = DATA_DIR / "mail"

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["rest_framework.authentication.SessionAuthentication"],
    "DEFAULT_PERMISSION_CLASSES": ["rest_framework.permissions.IsAuthenticated"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"no_secrets": {"()": "registry.log_words.WithoutSecrets"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "filters": ["no_secrets"]}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
