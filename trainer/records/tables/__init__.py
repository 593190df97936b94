"""Every table, by subject; importing this package registers them all."""

from trainer.records.tables.appeals import Appeal, AppealStep
from trainer.records.tables.base import Base
from trainer.records.tables.benches import BenchAct, BenchGiven, BenchRun
from trainer.records.tables.certifying import (
    Cabinet,
    Certificate,
    Decision,
    Machine,
    Practical,
    PracticalBench,
)
from trainer.records.tables.exams import Exam, ExamAnswer, ExamKeySheet, ExamRescore
from trainer.records.tables.heads import LogHead
from trainer.records.tables.keeping import ForgetProposal, LegalHold
from trainer.records.tables.keys import SignedAgain, SigningKeyKept, StatusPlace
from trainer.records.tables.learning import Drill, LessonRead, SkillStanding
from trainer.records.tables.log import LogEntry
from trainer.records.tables.measuring import Measurement, SheetCheck
from trainer.records.tables.people import Person, SignInTry, Site, SiteSheetVersion, Tablet
from trainer.records.tables.practicals import (
    ObserverQualification,
    PracticalLook,
    PracticalPicture,
    PracticalSecond,
    PracticalShown,
)
from trainer.records.tables.questions import OwnQuestion, OwnQuestionPhoto, OwnQuestionStep, OwnQuestionText
from trainer.records.tables.schemes import CutJudge, CutPanel, CutRating, FrozenScheme
from trainer.records.tables.sitting import ExamAllowance, ExamLook, ExamPause, ExamRequest
from trainer.records.tables.standing import (
    CertificateChange,
    ImpartialityEntry,
    InspectionPerson,
    ProcedureInspection,
    WorkplaceChange,
)
from trainer.records.tables.statistics import ExamMark, QuestionFlag, QuestionReview

__all__ = [
    "Appeal",
    "AppealStep",
    "Base",
    "BenchAct",
    "BenchGiven",
    "BenchRun",
    "Cabinet",
    "Certificate",
    "CertificateChange",
    "CutJudge",
    "CutPanel",
    "CutRating",
    "Decision",
    "Drill",
    "Exam",
    "ExamAllowance",
    "ExamAnswer",
    "ExamKeySheet",
    "ExamLook",
    "ExamMark",
    "ExamPause",
    "ExamRequest",
    "ExamRescore",
    "ForgetProposal",
    "FrozenScheme",
    "ImpartialityEntry",
    "InspectionPerson",
    "LegalHold",
    "LessonRead",
    "LogEntry",
    "LogHead",
    "Machine",
    "Measurement",
    "ObserverQualification",
    "OwnQuestion",
    "OwnQuestionPhoto",
    "OwnQuestionStep",
    "OwnQuestionText",
    "Person",
    "Practical",
    "PracticalBench",
    "PracticalLook",
    "PracticalPicture",
    "PracticalSecond",
    "PracticalShown",
    "ProcedureInspection",
    "QuestionFlag",
    "QuestionReview",
    "SheetCheck",
    "SignInTry",
    "SignedAgain",
    "SigningKeyKept",
    "Site",
    "SiteSheetVersion",
    "SkillStanding",
    "StatusPlace",
    "Tablet",
    "WorkplaceChange",
]
