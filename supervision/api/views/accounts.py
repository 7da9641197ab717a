"""Tokens: sign in with name and password, sign out, and who one is."""

from __future__ import annotations

from typing import Any

from django.urls import path
from drf_spectacular.utils import extend_schema, inline_serializer
from knox.models import AuthToken
from rest_framework import serializers
from rest_framework.authtoken.serializers import AuthTokenSerializer
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.throttling import AnonRateThrottle
from rest_framework.views import APIView

_PERSON = {"username": serializers.CharField(), "name": serializers.CharField()}


class SignInThrottle(AnonRateThrottle):
    """Slows down whoever guesses passwords."""

    rate = "20/minute"


class TokenView(APIView):
    """A token for name and password, to be sent as ``Authorization: Token …``."""

    authentication_classes = ()
    permission_classes = (AllowAny,)
    throttle_classes = (SignInThrottle,)

    @extend_schema(
        request=AuthTokenSerializer,
        responses=inline_serializer(
            "Token", {"token": serializers.CharField(), "expiry": serializers.DateTimeField(allow_null=True)}
        ),
    )
    def post(self, request: Request) -> Response:
        """Make a token. It is shown once; only its digest is kept."""
        given = AuthTokenSerializer(data=request.data, context={"request": request})
        given.is_valid(raise_exception=True)
        instance, token = AuthToken.objects.create(user=given.validated_data["user"])
        return Response({"token": token, "expiry": instance.expiry})


class OwnTokenView(APIView):
    """The token that the request carries."""

    @extend_schema(request=None, responses={204: None})
    def delete(self, request: Request) -> Response:
        """Revoke it."""
        if isinstance(request.auth, AuthToken):
            request.auth.delete()
        return Response(status=204)


class MeView(APIView):
    """Who the request speaks for."""

    @extend_schema(responses=inline_serializer("Me", _PERSON))  # type: ignore[arg-type] # stubs want one field type
    def get(self, request: Request) -> Response:
        """Name and sign-in name."""
        user: Any = request.user
        return Response({"username": user.username, "name": str(user)})


paths = [
    path("token/", TokenView.as_view(), name="api-token"),
    path("token/own/", OwnTokenView.as_view(), name="api-token-own"),
    path("me/", MeView.as_view(), name="api-me"),
]
