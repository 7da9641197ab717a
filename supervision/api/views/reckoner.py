"""The reckoner over the API: ``POST /api/v1/reckon/<rule>``, with a slash at the end or without."""

from __future__ import annotations

from collections.abc import Mapping
from typing import IO, Any

from django.urls import path, re_path
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema, extend_schema_view
from rest_framework.parsers import BaseParser
from rest_framework.response import Response
from rest_framework.reverse import reverse
from rest_framework.serializers import BooleanField
from rest_framework.views import APIView

from supervision.api.person import PersonRequest
from supervision.api.serializers.reckoner import PROBLEM, QUESTIONS, RuleSerializer, answer_of
from supervision.rules.errors import NotVisible
from supervision.rules.reckoner import RULES, reckon
from supervision.rules.reckoner.guide import GUIDES
from supervision.rules.reckoner.reading import LONGEST_INPUT, Answer, read_json
from supervision.rules.reckoner.workings import workings


class QuestionParser(BaseParser):
    """JSON as the command reads it: bounded, with the line and column of what is no JSON, and never NaN."""

    media_type = "application/json"

    def parse(
        self,
        stream: IO[Any],
        media_type: str | None = None,  # noqa: ARG002 - DRF's signature
        parser_context: Mapping[str, Any] | None = None,  # noqa: ARG002 - DRF's signature
    ) -> Any:
        """What the body holds; BadValue otherwise. Never reads more than one byte beyond what is allowed."""
        return read_json(stream.read(LONGEST_INPUT + 1))


class RulesView(APIView):
    """The rules of the reckoner."""

    @extend_schema(operation_id="reckon_rules", responses=RuleSerializer(many=True))
    def get(self, request: PersonRequest) -> Response:
        """Every rule with a worked example."""
        return Response([_listed(rule, request) for rule in RULES])


def _listed(rule: str, request: PersonRequest) -> dict[str, object]:
    guide = GUIDES[rule]
    answer = reckon(rule, guide.example)
    example = {"in": guide.example, "out": answer, "workings": workings(rule, guide.example, answer)}
    url = reverse(f"api-reckon-{rule}", request=request)
    return {"rule": rule, "title": guide.title, "answers": guide.answers, "url": url, "example": example}


class ReckonView(APIView):
    """One rule."""

    parser_classes = (QuestionParser,)
    rule = ""

    def post(self, request: PersonRequest) -> Response:
        """The answer; bad input is told with its place and mend (400)."""
        answer = reckon(self.rule, request.data)
        if BooleanField().run_validation(request.query_params.get("workings", "false")):
            answer |= {"workings": workings(self.rule, request.data, answer)}
        return Response(answer)


class UnknownRuleView(APIView):
    """A rule that is not there."""

    @extend_schema(exclude=True)
    def get(self, request: PersonRequest, rule: str) -> Response:  # noqa: ARG002 - the address's parts
        """No such rule (404)."""
        raise NotVisible("rule-unknown", "There is no such rule.", place="rule", mend=f"Use one of {', '.join(RULES)}.")

    @extend_schema(exclude=True)
    def post(self, request: PersonRequest, rule: str) -> Response:
        """No such rule (404)."""
        return self.get(request, rule)


def _view(rule: str) -> type[ReckonView]:
    """The view of one rule, documented with its question, its answer and a worked example."""
    guide = GUIDES[rule]
    example: Answer = reckon(rule, guide.example)
    documented = extend_schema(
        operation_id=f"reckon_{rule}",
        summary=guide.title,
        description=guide.answers,
        request=QUESTIONS[rule],
        responses={200: answer_of(rule), 400: PROBLEM},
        parameters=[OpenApiParameter("workings", bool, description="Add how the answer was come to, in sentences.")],
        examples=[
            OpenApiExample("Question", dict(guide.example), request_only=True),
            OpenApiExample("Answer", example, response_only=True, status_codes=["200"]),
        ],
    )
    named = type(f"Reckon{rule.title()}View", (ReckonView,), {"rule": rule, "__doc__": guide.answers})
    return extend_schema_view(post=documented)(named)


paths = [
    path("reckon/", RulesView.as_view(), name="api-reckon"),
    *(re_path(rf"^reckon/{rule}/?$", _view(rule).as_view(), name=f"api-reckon-{rule}") for rule in RULES),
    re_path(r"^reckon/(?P<rule>[^/]+)/?$", UnknownRuleView.as_view(), name="api-reckon-unknown"),
]
