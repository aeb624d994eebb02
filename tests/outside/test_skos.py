"""The vocabulary's export, read back by rdflib and held against W3C's SKOS Reference (18 August 2009).

Numbers of conditions ("S13") are those of https://www.w3.org/TR/skos-reference/.
"""

from itertools import combinations

import pytest
from rdflib import Graph, Literal, URIRef
from rdflib.namespace import RDF, SKOS

from pipeline.book import shipped_vocabulary
from pipeline.reading.vocabulary import Vocabulary, load_vocabulary
from pipeline.trade.entries import Part, Short
from pipeline.trade.skos import LANGUAGE, NAMESPACE, to_turtle

PARTS = URIRef(f"{NAMESPACE}scheme/part")


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return load_vocabulary(shipped_vocabulary())


@pytest.fixture(scope="module")
def graph(vocabulary: Vocabulary) -> Graph:
    return Graph().parse(data=to_turtle(vocabulary, "Test"), format="turtle")


def test_every_part_act_and_finding_is_read_back_as_a_concept(graph: Graph, vocabulary: Vocabulary) -> None:
    told = {(str(graph.value(c, SKOS.inScheme)).rsplit("/", 1)[1], str(graph.value(c, SKOS.notation)))
            for c in graph.subjects(RDF.type, SKOS.Concept)}  # fmt: skip
    known = {("part", one.notation) for one in vocabulary.parts}
    known |= {("act", one.notation) for one in vocabulary.acts}
    known |= {("finding", one.notation) for one in vocabulary.findings}
    assert told == known


def test_labels_and_definition_of_a_part_are_read_back(graph: Graph, vocabulary: Vocabulary) -> None:
    concepts = {str(graph.value(c, SKOS.notation)): c for c in graph.subjects(SKOS.inScheme, PARTS)}
    for part in vocabulary.parts:
        concept = concepts[part.notation]
        assert graph.value(concept, SKOS.prefLabel) == Literal(part.preferred, lang=LANGUAGE)
        others = {str(label) for label in graph.objects(concept, SKOS.altLabel)}
        assert others == set(part.alternatives) - {part.preferred}
        assert graph.value(concept, SKOS.definition) == Literal(part.gloss, lang=LANGUAGE)


def test_concept_is_no_scheme_s9(graph: Graph) -> None:
    assert not set(graph.subjects(RDF.type, SKOS.Concept)) & set(graph.subjects(RDF.type, SKOS.ConceptScheme))


def test_no_label_of_a_concept_plays_two_roles_s13(graph: Graph) -> None:
    for concept in graph.subjects(RDF.type, SKOS.Concept):
        roles = [set(graph.objects(concept, role)) for role in (SKOS.prefLabel, SKOS.altLabel, SKOS.hiddenLabel)]
        assert not any(one & other for one, other in combinations(roles, 2)), concept


def test_each_concept_has_one_preferred_label_for_a_language_s14(graph: Graph) -> None:
    for concept in graph.subjects(RDF.type, SKOS.Concept):
        (label,) = graph.objects(concept, SKOS.prefLabel)
        assert label.language == LANGUAGE


def test_broader_leads_to_a_concept_of_the_scheme_and_ends_at_a_top_concept(graph: Graph) -> None:
    for concept in graph.subjects(RDF.type, SKOS.Concept):
        steps = [concept]
        while above := graph.value(steps[-1], SKOS.broader):
            assert (above, RDF.type, SKOS.Concept) in graph
            assert graph.value(above, SKOS.inScheme) == graph.value(concept, SKOS.inScheme)
            assert above not in steps
            steps.append(above)
        scheme = graph.value(steps[-1], SKOS.topConceptOf)
        assert (scheme, SKOS.hasTopConcept, steps[-1]) in graph  # S8: the two are inverse
        assert len(steps) == 1 or graph.value(concept, SKOS.topConceptOf) is None


def test_preferred_labels_are_unique_in_a_scheme(graph: Graph) -> None:
    for scheme in graph.subjects(RDF.type, SKOS.ConceptScheme):
        labels = [graph.value(c, SKOS.prefLabel) for c in graph.subjects(SKOS.inScheme, scheme)]
        assert len(labels) == len(set(labels)), scheme


def test_odd_characters_survive_the_way_out_and_back() -> None:
    odd = 'a "quoted" \\ name, é ½ 3/8"'
    part = Part(
        notation="odd", preferred=odd, alternatives=(odd, "tab\there"), kind="structure", gloss="Line.\nLine."
    )
    vocabulary = Vocabulary(parts=(part,), shorts=(Short(name="bit", may_be=("odd",)),))
    graph = Graph().parse(data=to_turtle(vocabulary, 'The "old" one'), format="turtle")
    (concept,) = graph.subjects(RDF.type, SKOS.Concept)
    assert str(graph.value(concept, SKOS.prefLabel)) == odd
    assert [str(label) for label in graph.objects(concept, SKOS.altLabel)] == ["tab\there"]
    assert str(graph.value(concept, SKOS.definition)) == "Line.\nLine."
    assert str(graph.value(concept, SKOS.hiddenLabel)) == "bit"


def test_namespace_is_no_real_domain(graph: Graph) -> None:
    # RFC 2606, section 2: ".invalid" is kept from ever being registered. RFC 4151: tag URIs.
    assert all(str(c).startswith("tag:saidseen.invalid,") for c in graph.subjects(RDF.type, SKOS.Concept))
