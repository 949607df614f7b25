"""What the beats say: comparing readings."""

from django.urls import path

from sideshake.bench.views import compare

urlpatterns = [
    path("watches/<int:pk>/compare/", compare.compare, name="compare"),
    path("watches/<int:pk>/compared.svg", compare.compared_picture, name="compared-picture"),
]
