namespace Acquire.Sources.Synthetic;

/// <summary>Part of the instrument's cycle.</summary>
internal enum CoursePart
{
    Sweep,
    FlybackToRest,
    Rest,
    FlybackToStart,
}
