"""People and their memberships."""

import factory
from factory.django import DjangoModelFactory
from rest_framework.test import APIClient

from supervision.models import Membership, User
from supervision.rules.roles import Role


class UserFactory(DjangoModelFactory):
    class Meta:
        model = User

    username = factory.Sequence(lambda n: f"person{n}")
    first_name = "Ida"
    last_name = factory.Sequence(lambda n: f"Person {n}")


class MembershipFactory(DjangoModelFactory):
    class Meta:
        model = Membership

    production = factory.SubFactory("tests.factories.productions.ProductionFactory")
    user = factory.SubFactory(UserFactory)
    role = Role.SUPERVISOR


def client_of(user):
    """Somebody who calls the API."""
    client = APIClient()
    client.force_authenticate(user)
    return client
